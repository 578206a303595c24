M83
G1 E-1.5 F2700
{{# tools }}
M568 P{{ number }} S0 R0 A0
{{/ tools }}
M140 S0
G90
{{# part.top + 5 <= reach.top }}
G1 Z{{ part.top + 5 }} F900
G1 X-60 Y310 F15000
{{/}}
M106 S0
M84
