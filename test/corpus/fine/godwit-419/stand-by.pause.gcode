M83
G1 E-2 F2700
M568 P{{ tool.number }} A1   ; down to the waiting heat
G90
{{# layer.top + 20 <= reach.top }}
G1 Z{{ layer.top + 20 }} F900
G1 X-60 Y300 F15000
{{/}}
M291 P"Lay the hinge pins in" S2
M568 P{{ tool.number }} A2
M116
G1 E2 F1800
