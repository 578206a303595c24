M104 S0 ;tip off
M140 S0 ;bed off
M83 ;steps
G1 E-1.6 F1800 ;back
G91 ;steps here, too
G1 Z6 F540 ;hooks are 31 high
G90 ;places
G1 X0 Y165 F6600 ;bed out
M107 ;fan off
M84 ;loose
