; fan on while it goes up: the last dot sets at once
M83
M106 S200
G1 E-4 F2400
G91
G1 Z2 F900
G90
G28
M107
M104 S0
M140 S0
M18
