; before anything moves: the right nozzle; the controller asks on its display where it is another one
M862.1 P0.4
G90
M83
M140 S{{ heat.bed.first }}
M104 S165
M190 S{{ heat.bed.first }}
G28
G80                      ; on this controller it measures the bed
M109 S{{ heat.nozzle.first }}
G1 X8 Y-4 Z4 F9000
G1 Y3
G1 Z0.3 F900
G1 X102 E7.1 F1140
G92 E0
G1 Z2 F900
