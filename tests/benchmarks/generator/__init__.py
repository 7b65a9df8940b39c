"""Random problems, workings as people write them, and planted faults with their truth.

Written from statics and the habits of people alone; imports nothing of `verifier`.
"""
