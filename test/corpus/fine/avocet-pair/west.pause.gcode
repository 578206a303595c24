M83
G1 E-1.9 F2100
G90
{{# layer.top + 9 <= reach.top }}
G1 Z{{ layer.top + 9 }} F600
G1 X279 Y10 F7200
{{/}}
M0
G1 E1.9 F1200
