"""What is asked about finished jobs, in whole sentences."""

import pytest
from smallshop import write_shop

from pricelab.files.job_questions import MOST
from pricelab.files.jobs import KEY
from pricelab.files.records.book import Records
from pricelab.files.shop_folder import read_shop

HEAD = (
    "job,date,client,method,blank,width,height,quantity,order,price each,set-up charged,charged,"
    "same pieces\n"
)
TWO = """\
7,2026-03-02,A,patch,cap,2,2,24,first,10.50,54.55,306.55,
7,2026-03-02,A,patch,cap,3,2,24,first,7.00,0,168.00,{}
"""


def warned(folder, rows):
    """The warnings of the small shop, whose sales tax is 10 %, with these jobs."""
    shop = read_shop(write_shop(folder / "shop", jobs=HEAD + rows))
    return [str(one) for one in shop.warnings]


@pytest.mark.parametrize(
    ("said", "asked"),
    [
        ("yes", []),
        ("no", []),
        (
            "",
            [
                'jobs.csv, row 3, column "same pieces": found 24 pieces of cap again in job 7, and '
                'nothing said, expected yes or no. Write "yes" if they are the same pieces, '
                'decorated once more, or "no" if they are others. Until then they count as others.'
            ],
        ),
    ],
)
def test_one_blank_and_one_quantity_twice_in_a_job_is_asked_about(tmp_path, said, asked):
    assert warned(tmp_path, TWO.format(said)) == asked


def test_same_pieces_as_no_other_row_are_asked_about(tmp_path):
    rows = TWO.format("yes").replace("3,2,24,first,7.00,0,168.00", "3,2,12,first,7.00,0,84.00")
    assert warned(tmp_path, rows) == [
        'jobs.csv, row 3, column "same pieces": found yes, and no other row of job 7 with its '
        "blank and quantity, expected such a row. Correct the quantity, or write "
        '"no".'
    ]


@pytest.mark.parametrize(
    ("charged", "asked"),
    [
        ("306.55", None),
        ("306.67", None),  # prices that are whole cents may hide half a cent of each of 24 pieces
        (
            "325.20",
            'jobs.csv, row 2, column "charged": found 325.20, expected 306.55, which is 24 × 10.5 '
            "+ 54.55. Correct the one that is wrong.",
        ),
        (
            "337.20",  # 306.55 × 1.10 = 337.205
            'jobs.csv, row 2, column "charged": found 337.20, expected 306.55, which is 24 × 10.5 '
            "+ 54.55. It is that with sales tax: write it before tax.",
        ),
    ],
)
def test_what_was_charged_has_to_add_up(tmp_path, charged, asked):
    rows = f"7,2026-03-02,A,patch,cap,2,2,24,first,10.50,54.55,{charged},\n"
    assert warned(tmp_path, rows) == ([asked] if asked else [])


def test_many_questions_are_counted(tmp_path):
    rows = "".join(
        f"{number},2026-03-02,A,patch,cap,2,2,24,first,10.50,54.55,999.00,\n"
        for number in range(MOST + 3)
    )
    *first, last = warned(tmp_path, rows)
    assert len(first) == MOST
    assert last == (
        'jobs.csv, row 22, column "charged": found 3 more such rows from here on, expected none. '
        "Look at the ones before first."
    )


def test_a_job_corrected_in_the_book_is_asked_about_no_more(tmp_path):
    folder = write_shop(tmp_path / "shop", jobs=HEAD + TWO.format(""))
    jobs = read_shop(folder).jobs.iloc[[1]]
    Records(folder).add_jobs(jobs)
    assert [one.place.file for one in read_shop(folder).warnings] == ["records.sqlite"]
    was = tuple(jobs.iloc[0][list(KEY)])
    Records(folder).correct_job(was, jobs.assign(**{"same pieces": "no"}))
    assert read_shop(folder).warnings == ()
