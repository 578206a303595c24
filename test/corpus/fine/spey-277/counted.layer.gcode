M73 P{{ floor(100 * layer.number / layer.count) }} R{{ floor(job.duration * (layer.count - layer.number) / layer.count / 60) }}
