g21
g90
m83
m140 s{{heat.bed.first}}
g28
g1 z22 f500
m190 s{{heat.bed.first}}
m109 s{{heat.nozzle.first}}
g1 x12 y3.5 f6900
g1 z.3 f400
g1 x88 e5.4 f1080
g1 x151 e3.1
g1 z1.4 f400
