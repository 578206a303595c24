G29 S2
M104 S0
M140 S0
M83
G1 E-1 F2400
G90
{{# part.top + 12 <= reach.top }}
G1 Z{{ part.top + 12 }} F1000
G1 X-14 Y276 F12000
{{/}}
M106 S0
M18
