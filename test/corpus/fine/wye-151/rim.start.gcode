; A bow along the rim at the front, then a hop
G90
G21
G17
M83
M140 S{{ heat.bed.first }}
M104 S160
G28
M190 S{{ heat.bed.first }}
M109 S{{ heat.nozzle.first }}
M107
G1 X-50 Y-50 F7800
G1 Z8 F7800
G1 Z0.27 F600
G3 X50 Y-50 I50 J50 E9.7 F1020
G1 E-2 F2400
G1 Z1 F600
G1 X44 Y-54 F3000
G1 E2 F2400
G1 Z6 F1200
