; wide nozzle, thick stripe
G90
G21
M83
M140 S{{ heat.bed.first }}
G28
G32
M190 S{{ heat.bed.first }}
G28 Z
M109 S{{ heat.nozzle.first }}
G1 X15 Y9 Z5 F21000
G1 Z0.6 F1500
G1 X155 E42 F1500
G1 X168 F9000
G1 Z4 F1500
