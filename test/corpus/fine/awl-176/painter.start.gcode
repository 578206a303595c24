; fine tip: little at a time
G21
G90
M83
M190 S{{ heat.bed.first }}
G28
M109 S{{ heat.nozzle.first }}
G1 X9 Y5 Z2 F6000
G1 Z0.15 F300
G1 X79 E1.9 F900
G1 X95 E0.4 F900
G1 X99 F3000
G1 Z1 F480
