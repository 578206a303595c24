M83
M104 S0
G1 E-2.2 F1500
G90
{{# part.top + 5 <= reach.top }}
G1 Z{{ part.top + 5 }} F300
G1 X4 Y115 F4800
{{/}}
M106 S0
M18
