M117 Teal warms up
G90
G21
M82
M140 S{{ heat.bed.first }}
M104 T{{ tool.first }} S{{ heat.nozzle.first }}
M190 S{{ heat.bed.first }}
M109 T{{ tool.first }} S{{ heat.nozzle.first }}
T{{ tool.first }}
G28
G92 E0
G1 Z9 F720
G1 X236 Y22 F8400
G1 Z0.29 F600
G1 Y121 E8.4 F1100
G92 E0
G1 Z2.6 F720
M117
