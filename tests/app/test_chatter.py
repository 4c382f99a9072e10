"""Chatter of C libraries is kept from the maker, and what is meant for the maker comes through afterwards."""
import os
import sys
import threading

from app.chatter import hushed


def test_chatter_within_is_dropped_and_words_after_it_are_not(capfd):
    with hushed():
        os.write(2, b"Expression failed\n")
    sys.stderr.write("in plain words\n")
    sys.stderr.flush()
    assert capfd.readouterr().err == "in plain words\n"


def test_standard_error_is_back_after_a_fault(capfd):
    try:
        with hushed():
            raise ValueError
    except ValueError:
        os.write(2, b"back\n")
    assert capfd.readouterr().err == "back\n"


def test_standard_output_is_left_alone(capfd):
    with hushed():
        os.write(1, b"a reading\n")
    assert capfd.readouterr().out == "a reading\n"


def test_hushing_within_hushing_ends_with_the_outer_one(capfd):
    with hushed():
        with hushed():
            os.write(2, b"inner\n")
        os.write(2, b"outer\n")
    os.write(2, b"after\n")
    assert capfd.readouterr().err == "after\n"


def test_many_threads_leave_standard_error_where_it_was(capfd):
    def hush_often():
        for _ in range(200):
            with hushed():
                os.write(2, b"chatter\n")

    threads = [threading.Thread(target=hush_often) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    os.write(2, b"after\n")
    assert capfd.readouterr().err == "after\n"
