def add_parser(commands):
    pass
