G90
M83
M190 S{{ heat.bed.first }}
M104 S{{ heat.nozzle.first }}
G28
M109 S{{ heat.nozzle.first }}
G1 X269 Y25 Z4 F7200
G1 Z0.3 F480
G1 Y131 E8.1 F1100
G1 Z2 F600
