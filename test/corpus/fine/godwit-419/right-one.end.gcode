M104 T0 S0
M104 T1 S0
M140 S0
M83
G1 E-1.2 F2700
G90
{{# part.top + 9 <= reach.top }}
G1 Z{{ part.top + 9 }} F900
G1 X-60 F12000
{{/}}
M107
M84 X Y U E
