; away first, then it waits until the part lets go by itself, and calls
M104 S0
M83
G1 E-1.5 F2700
G90
{{# part.top + 5 <= reach.top }}
G1 Z{{ part.top + 5 }} F1200
G1 X2 Y336 F18000
{{/}}
M106 S255                ; tip and part
M140 S0
G4 S180
M107
M300 S880 P300
M300 S660 P300
M84
