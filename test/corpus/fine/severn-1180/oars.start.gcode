; first the front, where two people stand
G90
M82
G21
G28
M117 Bed to {{ heat.bed.first }}
M190 S{{ heat.bed.first }}
M117 Tip to {{ heat.nozzle.first }}
M109 S{{ heat.nozzle.first }}
G92 E0
G1 X14 Y6 Z8 F8400
G1 Z0.55 F600
G1 X170 E29 F1260
G92 E0
G1 Z2.5 F600
M117
