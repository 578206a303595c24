; nothing but up, and off: for machines that one does not know
M104 S0
M140 S0
M107
M83
G1 E-1.5 F1800
G91
G1 Z10 F420
G90
M84 X Y E
