M83
G1 E-1.4 F2700
G90
{{# layer.top + 30 <= reach.top }}
G1 Z{{ layer.top + 30 }} F1200
G1 X-10 Y-20 F12000
{{/}}
M400
M0 screws
G1 E1.4 F1800
