; Lantern 174, start: runs before the first layer of every job.

; Up and out of the way, whatever still lies on the bed: homing only moves upward here
G28                                 ; ends at X0 Y0 Z283
M107                                ; fan off

; Both heaters, the bed first: then no drop falls on it while it warms
M190 S{{ heat.bed.first }}          ; bed: heat and wait
M109 S{{ heat.nozzle.first }}       ; nozzle: heat and wait

; How the moves below are read
G21                                 ; lengths in mm
G90                                 ; X Y Z are places; 0, 0 is the middle of the bed
G17                                 ; arcs lie flat
M83                                 ; E is a step

; Purge along the rim at the back right: an arc 82 mm from the middle, turning to the left.
; 92.5 mm of a bead 0.8 wide and 0.28 high (0.207 mm2) is 19.2 mm3, or 8 mm of filament.
G0 X80 Y18 F10800                   ; still at the top
G0 Z9 F10800                        ; straight down beside the rim
G1 Z0.28 F900
G3 X18 Y80 I-80 J-18 E8 F960        ; 16 mm/s: 3.3 mm3/s
G1 E-1.3 F2220                      ; pull back, so that no thread is drawn

; The job begins hot, absolute and in mm, with the tip clear of the bed
G1 Z4 F900
