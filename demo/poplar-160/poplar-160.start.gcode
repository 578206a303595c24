; Poplar 160, start: runs before the first layer of every job.

; 1. How numbers are read
G21                                 ; lengths in mm
G90                                 ; X Y Z are places
M83                                 ; E is a step
M107                                ; fan off

; 2. Everything that warms slowly begins now
M140 S{{ heat.bed.first }}          ; bed: begin
M141 S{{ heat.chamber }}            ; chamber: begin; 0 where the job does not ask for it

; 3. Home, and leave the nozzle high while it waits
G28
G1 Z30 F480

; 4. Wait from the slowest to the quickest
M190 S{{ heat.bed.first }}
M191 S{{ heat.chamber }}
HEAT_SOAK MINUTES=4                 ; a tall part needs a plate that is warm to its edges
M109 S{{ heat.nozzle.first }}
BRUSH_NOZZLE                        ; hot, so that what hangs on it comes off

; 5. Purge line along the front, far from the camera post.
;    130 mm of a bead 0.9 wide and 0.4 high (0.326 mm2) is 42.3 mm3, or 17.6 mm of filament.
G1 Z5 F480                          ; still beside the bed
G1 X12 Y5 F6000
G1 Z0.4 F480
G1 X142 E17.6 F900                  ; 15 mm/s: 4.9 mm3/s

; 6. Hand over
G1 E-1.2 F1800
G1 Z3 F480
