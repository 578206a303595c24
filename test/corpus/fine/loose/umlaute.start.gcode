; Für die Werkstatt im Keller: erst räumen, dann drucken
G21
G90
M83
M140 S62
M104 S150
G28
M190 S62
M109 S212
G1 X14 Y6 Z4 F5400
G1 Z0.3 F360
G1 X96 E6.2 F960 ; Strich längs der Kante
G1 Z2 F480
