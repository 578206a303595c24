G10
M140 S0
M104 S0
G91
G1 Z10 F1500          ; nothing above 430: the crane hook
G90
G1 X398 Y-15 F18000
M106 S0
M84
