M83
G90
G1 E-1.5 F2100
G1 Z‹min(floor.z + 15, reach.top)› F600
G1 X-5 Y207 F7500
M0 glass in
G1 X‹back.x› Y‹back.y› F7500
G1 Z‹floor.z› F600
G1 E1.5 F2100
