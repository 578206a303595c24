M83
G01 E-01.5 F1800
M104 S0
M140 S0
G90
{{# part.top + 5 <= reach.top }}
G00 Z{{ part.top + 5 }} F0540
G00 X000.0 Y170.0 F6000
{{/}}
M107
M84
