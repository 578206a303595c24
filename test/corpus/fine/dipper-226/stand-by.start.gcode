; what is not known to the workshop's file: hush is the maker's word for slow fans of the electronics
hush
G90
M83
find_edges
M190 S{{ heat.bed.first }}
M104 S{{ heat.nozzle.first }}
step_aside
M109 S{{ heat.nozzle.first }}
G1 X18 Y9 F12000
G1 Z0.34 F900
G1 X134 E9.9 F1200
G1 Z4 F900
