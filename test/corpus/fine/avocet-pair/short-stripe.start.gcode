G90
M82
M190 S{{ heat.bed.first }}
M109 S{{ heat.nozzle.first }}
G28
G92 E0
G1 X4 Y4 Z3 F6600
G1 Z0.3 F480
G1 X54 E4.1 F960
G92 E0
G1 Z1.5 F600
