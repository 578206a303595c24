; Up, all the way: nothing stands in the way there.
M83
G1 E-4.2 F2400
G28
M104 S100
M0 Call Ida before you go on
M109 S{{ heat.nozzle.later }}
G1 E4.2 F180
; it is at the very top: the job's next line is the travel back, X Y first, then Z
