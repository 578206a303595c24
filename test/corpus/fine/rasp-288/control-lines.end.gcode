G90
M83
G1 E-1.5 F2400
M104 S0
M140 S0
{{# part.top + 2 <= reach.top }}
G1 Z{{ min(part.top + 30, reach.top) }} F1000
G1 X0 Y275 F12000
{{/}}
if {chamber.door == "open"}
  M107
else
  M106 S255
  G4 P60000
  M107
M84
