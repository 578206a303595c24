m104 s0
m140 s0
m107
g91
g1 e-1.6 f1900 ; in steps: the job stays in the m83 of our start
g1 z6 f500 ; the parts of this class end at 180 at the latest, so there is always room
g90
g1 x2 y185 f6500
m84
