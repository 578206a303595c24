; Lantern 174, end: runs after the last layer, with the hot nozzle on top of the part.

M140 S0                             ; bed off
M104 S0                             ; nozzle off

G21                                 ; lengths in mm
M83                                 ; E is a step
G1 E-2.7 F2220                      ; pull back before the nozzle leaves the part

; Homing lifts all three carriages at once: straight up, however tall the part is.
G28
M84                                 ; motors off: the carriages stay up by themselves
M107                                ; fan off, now that the tip is far from the part
