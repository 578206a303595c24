M83
G1 E-1.5 F2700
G90
{{# layer.top + 25 <= reach.top }}
G1 Z{{ layer.top + 25 }} F900
G1 X-6 Y-4 F15000
{{/}}
M0 letters
warm_tip deg={{ heat.nozzle.later }}
G1 E1.5 F1800
