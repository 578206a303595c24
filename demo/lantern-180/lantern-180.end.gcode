; Lantern 180, end: runs after the last layer, with the hot nozzle on top of the part.

G21                                 ; lengths in mm
G90                                 ; X Y Z are places
M83                                 ; E is a step

G1 E-3 F2400                        ; pull the filament back
M104 S0                             ; nozzle off
M140 S0                             ; bed off

; Homing lifts all three carriages at once: straight up, however tall the part is.
G28
M107                                ; fan off, now that the nozzle has left the part
M84                                 ; motors off
