"""The codes that the cases use, by a word for what they are about.

All are in the demo books (`public/books`), except where the comment says otherwise.
"""

from types import SimpleNamespace

O = SimpleNamespace(
    sby="1100", core="44D0", gfx="5E91", mem="6190", vid="B110", fan="E100", hot="E250", clk="F470", psu="2100",
    tail0="7000", lead0="0040",
    b8_wrong="B300",  # not in the book, 8300 is: stays as written
    g_open="7G90",  # neither 7690 nor 7C90 is in the book
    g_table="6190", g_table_slip="G190",  # C190 is not in the book
)

H = SimpleNamespace(
    sby="9110", core="9264", gfx="9400", fan="9A12", warm="3A40", c6="924C",
    two_true="3A14", two_written="3A41",  # 34A1 would do as well
    t1="2018-02-03 09:10:00", t3="2018-02-05 09:10:00", t4="2018-02-06 09:10:00", t5="2018-02-07 09:10:00",
    t7="2018-03-02 09:10:00", t8="2018-03-03 09:10:00",
    slip1=(8, "5", "code"), slip4=(10, "86", "time"), slip8=(19, "0", "temp"),
)

T = SimpleNamespace(
    a=("amber", 14), b=("cedar", 22), c=("fern", 17), d=("grove", 3), e=("heath", 41), f=("dune", 8),
    a_slip="arnber",
    number_slip=("17", "11"),
    no_mend="KK",
)
