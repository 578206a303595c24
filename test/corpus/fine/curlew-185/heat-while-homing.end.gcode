M83
G1 E-5 F1200
M104 S0
M140 S0
G90
{{# part.top + 10 <= reach.top }}
G1 Z{{ part.top + 10 }} F330
G28 X0
G1 Y165 F4500
{{/}}
M106 S0
M84
