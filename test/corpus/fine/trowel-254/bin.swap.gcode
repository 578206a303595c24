; another colour by hand: the old one is pushed out into the bin
M83
G1 E-1.4 F2400
G90
{{# layer.top + 12 <= reach.top }}
G1 Z{{ layer.top + 12 }} F840
G1 X272 Y-3 F10800
M0 next colour
G1 E40 F240
G1 E-1.4 F2400
{{/}}
{{^ layer.top + 12 <= reach.top }}
; too high up: the display's own routine
M600
{{/}}
G1 E1.4 F2400
