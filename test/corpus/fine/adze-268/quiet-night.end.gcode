M140 S0
M104 S0
G90
M83
G1 E-1.8 F1800
{{# part.top + 15 <= reach.top }}
G1 Z{{ part.top + 15 }} F600
G1 X-133 Y110 F4800
{{/}}
{{^ part.top + 15 <= reach.top }}
; hardly room above it: straight up as far as it goes, and stay there
G1 Z{{ reach.top }} F600
{{/}}
M106 S255
G4 S50
M106 S0
M84
