G4                       ; lets the moves come to an end
M104 S0
M140 S0
M107
M83
G1 E-1.3 F2400
G90
{{# part.top + 3 <= reach.top }}
G1 Z{{ min(part.top + 25, reach.top) }} F900
G1 X240 Y220 F9000
{{/}}
M84
