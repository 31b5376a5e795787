"""Many situations at once: read line by line, judged by processes or a cluster, written in their order."""
