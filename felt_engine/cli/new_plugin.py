def add(c):
    pass
