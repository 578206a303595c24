M104S0
M140S0
M83
G1E-1.5F1800
G90
{{# part.top + 8 <= reach.top }}
G1Z{{ part.top + 8 }}F400
G1X0Y181F5400
{{/}}
M107
M84
