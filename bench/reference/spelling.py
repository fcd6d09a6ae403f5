"""How far apart two spellings are."""


def distance(one: str, other: str, most: int) -> int:
    """The edits (a letter more, less, other, or two swapped) from one word to the other; `most` + 1 where there are
    more.

    Optimal string alignment after Damerau (Communications of the ACM 7, 171, 1964).
    """
    if abs(len(one) - len(other)) > most:
        return most + 1
    before: list[int] = []
    row = list(range(len(other) + 1))
    for place, letter in enumerate(one, start=1):
        earlier, before, row = before, row, [place]
        for at, against in enumerate(other, start=1):
            cost = min(before[at] + 1, row[at - 1] + 1, before[at - 1] + (letter != against))
            if place > 1 and at > 1 and letter == other[at - 2] and one[place - 2] == against:
                cost = min(cost, earlier[at - 2] + 1)
            row.append(cost)
        if min(row) > most:
            return most + 1
    return min(row[-1], most + 1)


def close(typed: str, known: str) -> bool:
    """Whether a typed word is a slip away from a known one: one edit from four letters, two from seven; numbers
    never.
    """
    if len(typed) < 4 or len(known) < 4 or any(each.isdigit() for each in typed + known):
        return False
    most = 1 if len(typed) < 7 else 2
    if typed[0] != known[0] and typed[:2] != known[1::-1] and typed[1:3] != known[1:3]:
        return False
    if len(known) > len(typed) + most:
        known = known[: len(typed)]
    return distance(typed, known, most) <= most
