"""Take out of the list of unconverted files what has been converted: ``python -m tests.wording.shrink``.

After a merge conflict in the list, take either side of it first.
"""

from tests.wording import sources, test_words


def main() -> None:
    """Write the list anew; nothing is added to it."""
    open_texts = test_words.unconverted().keys() | {f"unused: {name}" for name in test_words.unused()}
    left = sorted(sources.not_yet() & open_texts)
    sources.NOT_YET.write_text("".join(f"{name}\n" for name in left), encoding="utf-8")
    print(f"{len(left)} left")


if __name__ == "__main__":
    main()
