G90
M82
G92 E0
G1 E-1.5 F2400
M104 S0
M140 S0
{{# part.top + 5 <= reach.top }}
G0 Z{{ part.top + 5 }} F900
G0 X{{ bed.centre.x }} Y{{ bed.back }} F12000
{{/}}
M107
M18
