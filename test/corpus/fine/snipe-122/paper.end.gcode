G90
M82
G92 E0
G1 E-2 F1500
M107
M104 S0
{{# part.top + 3 <= reach.top }}
G1 Z{{ min(part.top + 20, reach.top) }} F300
G1 Y118 F4500
{{/}}
M84 X Y
M300 S990 P80
