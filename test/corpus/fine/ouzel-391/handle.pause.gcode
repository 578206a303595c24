G10
G91
G1 Z20 F1500          ; a pause is asked for below 300 only
G90
G1 X-8 Y-18 F18000
M104 S150
M0 put the handle in
M109 S{{ heat.nozzle.later }}
G11
