{{# tool.next != tool.number }}
M83
G1 E-2.4 F2400
T{{ tool.next }}
G1 E2.4 F2400
{{/}}
