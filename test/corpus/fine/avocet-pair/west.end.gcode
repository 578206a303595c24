; parked at the window: a little further than the other one reaches
M104 S0
M140 S0
M83
G1 E-1.9 F2100
G90
{{# part.top + 9 <= reach.top }}
G1 Z{{ part.top + 9 }} F600
G1 X279 Y222 F7200
{{/}}
M107
M84
