M83
G1 E-2.5 F1500
G90
{{# layer.top + 12 <= reach.top }}
G1 Z{{ layer.top + 12 }} F300
G1 X2 Y112 F4800
{{/}}
M104 S140
M0 beads
M109 S{{ heat.nozzle.later }}
G1 E2.5 F600
