; pulls back while it goes to and fro over the last line, then up
M83
G91
G1 X1.5 E-0.4 F4800
G1 X-1.5 E-0.4
G1 E-0.6 F2700
{{# part.top + 4 <= reach.top }}
G1 Z4 F1200
{{/}}
G90
{{# part.top + 4 <= reach.top }}
G1 X0 Y330 F18000
{{/}}
M140 S0
M104 S0
M106 S0
M84
