M140 S0
M104 S0
M107
G90
G92 E10
M82
G1 E5 F1200
{{# part.top + 1 < reach.top }}
G1 Z{{ min(part.top + 15, reach.top) }} F330
G1 X190 Y2 F4800
{{/}}
M18
