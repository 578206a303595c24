M140 S{{ heat.bed.first }}
find_edges
G90
M82
G21
warm_plate deg={{ heat.bed.first }}
warm_tip deg={{ heat.nozzle.first }}
rub_tip times=6
G92 E0
G1 X214 Y228 Z8 F10800
G1 Z0.28 F900
G1 X120 E7.3 F1140
G92 E0
G1 Z2 F900
