M83
G1 E-1.4 F1800
G90
{{# layer.top + 6 <= reach.top }}
G1 Z{{ layer.top + 6 }} F480
G1 X0 Y162 F5400
{{/}}
M117 two magnets, dot up
M300 S1200 P150
M0
M117
G1 E1.4 F900
