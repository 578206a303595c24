M83
G1 E-1.2 F2400
G90
{{# layer.top + 15 <= reach.top }}
G1 Z{{ layer.top + 15 }} F900
G1 X242 Y-6 F9000
{{/}}
M876 P1 S0               ; the host's dialog goes away by itself
M300 S750 P250
M0
G1 E1.2 F1800
