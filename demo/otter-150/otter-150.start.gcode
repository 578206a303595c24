; Otter 150, start. The placeholders are written as the job's program has them, see
; lathe-song.placeholders.json: sections too, with words of their own.

G21                                 ; lengths in mm
G90                                 ; X Y Z are places
M83                                 ; E is a step
M107                                ; fan off

M140 S«warmth.plate»                ; bed: begin
M104 S150                           ; nozzle: soft, not yet running
G28                                 ; find the axes meanwhile
G1 Z10 F400                         ; room to wait in
M190 S«warmth.plate»                ; bed: wait
M109 S«warmth.tip»                  ; nozzle: wait

; Purge line along the front: a short one where filament is dear, and slowly where it is soft
G1 X10 Y3 F6000
G1 Z0.3 F400
«when thrift»
G1 X60 E4 F900
«or when goods == "willow"»
G1 X140 E9 F500
«otherwise»
G1 X140 E9 F1000
«done»

; Birch strings: pull back further, so that nothing drips on the way
G1 E«goods == "birch" ? -1.2 : -0.6» F1800
G1 Z2 F400
