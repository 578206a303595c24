G21
G90
M83
M104S{{ heat.nozzle.first }}
M190S{{ heat.bed.first }}
G28
G1Z11F400
M109S{{ heat.nozzle.first }}
G1X24Y174F5400
G1Z0.3F300
G1X120E7.4F900
G1Z2F400
