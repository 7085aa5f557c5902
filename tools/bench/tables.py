"""Plain tables on the screen."""


def number(value, form):
    if value is None or value != value:
        return "-"
    return form % value


def table(title, head, rows, notes=()):
    """Prints rows of texts under their heads, words to the left and numbers to the right."""
    print("\n%s\n" % title)
    rows = [[str(text) for text in row] for row in rows]
    widths = [max(len(row[i]) for row in [head] + rows) for i in range(len(head))]

    def words(i):
        return any(row[i][:1].isalpha() for row in rows) or head[i] == "rates of"

    for row in [head] + rows:
        print("  " + "  ".join(text.ljust(width) if words(i) else text.rjust(width)
                               for i, (text, width) in enumerate(zip(row, widths))).rstrip())
    for note in notes:
        print("  " + note)
