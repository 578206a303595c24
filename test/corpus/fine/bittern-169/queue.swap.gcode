; runs where the spool of hooks is changed by the row's attendant
M83
G1 E-1.5 F1800
G91
G1 Z10 F540           ; hooks are 31 high
G90
G1 X0 Y172 F6600
M300 S1000 P500
M0 spool
G1 E1.5 F1200
