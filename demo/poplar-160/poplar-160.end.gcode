; Poplar 160, end: runs after the last layer, with the hot nozzle on top of a part that may be
; 405 mm tall.

G21                                 ; lengths in mm
G90                                 ; X Y Z are places
M83                                 ; E is a step

G1 E-3 F1800                        ; let go of the part
M104 S0                             ; nozzle off
M140 S0                             ; bed off
M141 S0                             ; chamber off: it cools with the door closed
M107                                ; fan off

; Lift and wait at the front left, on the brush's side. The camera post stands at the back right: a
; path to the front left stays clear of it from anywhere on the bed. Without room to lift the nozzle
; stays where it is.
{{# part.top + 1 <= reach.top }}
G1 Z{{ min(part.top + 15, reach.top) }} F480
G1 X{{ reach.left + 4 }} Y{{ bed.front }} F6000
{{/}}

M84                                 ; motors off
