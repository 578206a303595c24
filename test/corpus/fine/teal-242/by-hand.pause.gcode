M83
G91
G1 E-2 F2100
G1 Z5 F720         ; jobs with a pause are vases of 160
G90
G1 X-7 Y214 F9000
M104 T0 S130
M104 T1 S130
M0 Vase: put the lamp socket in
M109 T{{ tool.number }} S{{ heat.nozzle.later }}
G1 E2 F1200
