; One tool, by number, the classic way: M109 works here, too, for the tool that is in the hand.
G90
M83
G28
T{{ tool.first }}
M190 S{{ heat.bed.first }}
M109 S{{ heat.nozzle.first }}
G0 X303 Y30 Z10 F18000
G0 Z0.24 F1200
G1 Y150 E6.9 F1500
G1 E-0.6 F2700
G0 Z1.5 F1200
G1 E0.6 F2700
