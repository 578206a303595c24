M83
G1 E-1.4 F2700
{{# tools }}
G10 P{{ number }} S0 R0
{{/ tools }}
M140 S0
G90
{{# part.top + 4 <= reach.top }}
G1 Z{{ part.top + 4 }} F1200
T-1                 ; the tool goes back into the rack
{{/}}
M106 S0
M84
