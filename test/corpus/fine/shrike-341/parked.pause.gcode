G60 S2
M83
G1 E-1.4 F2700
G27 P2                   ; the controller lifts and goes to its waiting place
M0
G61 S2 F9000
G1 E1.4 F2700
