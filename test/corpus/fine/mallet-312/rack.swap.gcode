; the rack's routine lifts by itself before it goes to the back
M83
G1 E-2 F2700
T{{ tool.next }}
M116 P{{ tool.next }}
G1 E2 F1800
