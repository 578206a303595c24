M104 S0
M140 S0
G90
M83
G1 E-2.4 F1800
{{# part.top + 10 <= reach.top }}
G1 Z{{ part.top + 10 }} F600
G1 X0 Y1200 F11000  ; the bridge at the far end, so that the oar can be lifted out at the front
{{/}}
M107
M84
