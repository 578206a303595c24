; by names: what each does stands in the machine file
G21
G90
M83
find_edges
warm_plate deg={{ heat.bed.first }}
read_plate
warm_tip deg={{ heat.nozzle.first }}
G1 X7 Y220 Z5 F12000
G1 Z0.3 F900
G1 Y118 E8.2 F1260
G1 Z3 F900
