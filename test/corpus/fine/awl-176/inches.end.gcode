M104 S0
M140 S0
G20
G91
M83
G1 E-0.05 F70
G1 Z0.1 F19            ; a tenth of an inch is always free above figures of two inches
G90
G1 X0 Y6.3 F240
G21
M107
M84
