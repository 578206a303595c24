M104 S0
M140 S0
M82
G92 E0
G1 F1800
G1 E-1.6
G90
{{# part.top + 7 <= reach.top }}
G1 F540
G1 Z{{ part.top + 7 }}
G1 F6300
G1 X2 Y172
{{/}}
M106 S0
M84
