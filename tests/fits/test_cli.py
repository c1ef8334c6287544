"""The command line: what it prints, and that bad input is one clear line and status 2."""

import csv
import io
import json
import os
import pty
import subprocess
import sys
import tomllib
import xml.etree.ElementTree as ET
from pathlib import Path

import jsonschema
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import fits
import fits.library
from fits.cli.main import main
from fits.words import words_of
from tests.fits.notation.test_look_json import CHECK

LOOK = ("odd-three-safety", "11-doubles", "power")
LIBRARY = Path(fits.library.__file__).parent
CHECK_REPAIR = jsonschema.Draft202012Validator(
    json.loads((Path(fits.__file__).parent / "notation" / "repair.schema.json").read_text(encoding="utf-8"))
)
SYSTEM = LIBRARY / "systems" / "odd-three-safety.toml"


@pytest.fixture
def run(capsys):
    """Runs the command line in this process: status, output, error line."""

    def run(*argv):
        try:
            status = main([str(a) for a in argv])
        except SystemExit as error:
            status = error.code
        out, err = capsys.readouterr()
        return status, out, err

    return run


def refused(result, *words):
    status, out, err = result
    assert status == 2 and out == ""
    assert err.count("\n") == 1 and err.startswith("fits"), err
    for word in words:
        assert word in err
    return True


class TestKnow:
    FEW = ("--formations", "11-trey,12-ace", "--concepts", "power,inside-zone,dart")

    def test_json_is_one_object_a_call_that_keeps_to_the_schema(self, run):
        calls = ("odd-three-safety", "over-quarters")
        status, out, err = run("know", *calls, *self.FEW, "--json")
        assert (status, err) == (0, "")
        rows = [json.loads(line) for line in out.splitlines()]
        assert [row["call"] for row in rows] == list(calls) and {row["looks"] for row in rows} == {12}
        schema = Path(fits.library.__file__).parents[1] / "notation" / "know.schema.json"
        for row in rows:
            jsonschema.validate(row, json.loads(schema.read_text()))

    def test_text_has_each_mans_share_and_the_plays_he_cannot_tell_apart(self, run, tmp_path):
        """A rule that hangs on the throw alone: the run with it and the run without look the same to him."""
        throw = 'fits = [\n  { id = "ZZ", who = "M", when = "run-pass option", fit = "frontside C", say = "wide" },\n'
        always = '  { id = "ZY", who = "M", when = "", fit = "frontside A", say = "tight" },\n'
        own = tmp_path / "own.toml"
        own.write_text(SYSTEM.read_text().replace("fits = [\n", throw + always, 1))
        looks = ("--formations", "10-doubles", "--concepts", "inside-zone,inside-zone-rpo", "--role", "M")
        status, out, _ = run("know", "odd-three-safety", *looks, "--file", own)
        assert status == 0 and "4 looks, 2 pictures, 100.0% cannot be known" in out
        assert "M cannot know (2 pairs):" in out and "wide" in out and "tight" in out
        assert "would tell them apart: none: the same to him until the handoff" in out

    def test_personnel_chooses_formations(self, run):
        both = json.loads(run("know", "odd-three-safety", *self.FEW, "--personnel", "11, 12", "--json")[1])
        one = json.loads(run("know", "odd-three-safety", *self.FEW, "--personnel", "12", "--json")[1])
        assert (both["looks"], one["looks"]) == (12, 6)

    def test_what_cannot_be_studied_is_one_clear_line(self, run):
        assert refused(run("know", "odd-three-safety", "--role", "Q"), "unknown role 'Q'")
        none = ("--personnel", "00", "--formations", "11-*")
        assert refused(run("know", "odd-three-safety", *none), "expected one of 11")
        assert refused(run("know", "odd-three-safety", "--personnel", "x"), "expected two digits")
        assert refused(run("know", "nothing"), "unknown call")
        assert refused(run("know", "odd-three-safety", "--formations", "zz"), "unknown formation")


class TestLadder:
    FEW = ("--formations", "11-trey,12-ace", "--concepts", "power,inside-zone,dart")

    def test_json_is_one_object_that_keeps_to_the_schema(self, run):
        status, out, err = run("ladder", "odd-three-safety", "--role", "E", *self.FEW, "--json")
        assert (status, err) == (0, "")
        schema = Path(fits.library.__file__).parents[1] / "notation" / "ladder.schema.json"
        jsonschema.validate(json.loads(out), json.loads(schema.read_text()))

    def test_text_has_the_reads_and_what_to_do(self, run):
        status, out, _ = run("ladder", "odd-three-safety", "--role", "E", *self.FEW)
        assert status == 0 and "reads (" in out and "no ladder is shorter" in out and "B gap" in out

    def test_what_has_no_ladder_is_one_clear_line(self, run):
        assert refused(run("ladder", "odd-three-safety", "--role", "Q"), "unknown role 'Q'")
        assert refused(run("ladder", "nothing", "--role", "M"), "unknown call")
        assert refused(run("ladder", "odd-three-safety"), "--role")


class TestTimeline:
    JET = ("derive", "over-quarters", "11-doubles", "jet-sweep")

    def test_json_starts_with_the_motion_and_keeps_to_the_schema(self, run):
        status, out, err = run(*self.JET, "--motion", "jet", "--timeline", "--json")
        assert (status, err) == (0, "")
        made = json.loads(out)
        schema = Path(fits.library.__file__).parents[1] / "notation" / "timeline.schema.json"
        jsonschema.validate(made, json.loads(schema.read_text()))
        assert made["start_s"] < -1 and made["ball"]["holder"][-1] == "R"
        _, plain, _ = run(*self.JET, "--motion", "jet", "--json")
        arrivals = {d["role"]: d["arrival_s"] for d in json.loads(plain)["defenders"] if d["lane"] is not None}
        assert {a["role"]: a["arrival_s"] for a in made["arrivals"]} == arrivals

    def test_what_cannot_be_run_or_shown_is_one_clear_line(self, run):
        assert refused(run(*self.JET, "--timeline", "--json"), "send him in motion, or line him up closer")
        assert refused(run(*self.JET, "--motion", "jet", "--timeline"), "expected --json beside --timeline")


class TestDerive:
    def test_json_is_one_object_that_keeps_to_the_schema(self, run):
        status, out, err = run("derive", *LOOK, "--to", "right", "--hash", "right", "--json")
        assert (status, err) == (0, "")
        look = json.loads(out)
        CHECK.validate(look)
        assert (look["to"], look["hash"]) == ("right", "right")
        assert look["sound"] == (look["band"] == "sound")
        assert out.count("\n") == 1

    def test_the_same_bytes_twice(self, run):
        assert run("derive", *LOOK, "--json") == run("derive", *LOOK, "--json")

    def test_text_has_the_field_a_table_by_position_and_the_verdict(self, run):
        status, out, _ = run("derive", *LOOK, "--to", "right", "--hash", "right")
        assert status == 0
        assert "E/5" in out and "inside the pulling guard" in out and "Sound" in out
        assert [out.index(h) for h in ("\nLine\n", "\nLinebackers\n", "\nSecondary\n")] == sorted(
            out.index(h) for h in ("\nLine\n", "\nLinebackers\n", "\nSecondary\n")
        )

    def test_an_unsound_look_is_still_derived(self, run):
        status, out, _ = run(
            "derive", *LOOK, "--to", "right", "--first-step", "LG=in", "--first-step", "LT=pull", "--json"
        )
        assert status == 0 and json.loads(out)["first_steps"] == {"LG": "in", "LT": "pull"}
        unsound = next(
            m for m in fits.derive_matrix([fits.load_library().call(LOOK[0])], fits.load_library().formations.values(),
                                          fits.load_library().concepts.values(), flips=(False,))
            if isinstance(m, fits.Look) and not m.sound
        )  # fmt: skip
        status, out, _ = run(
            "derive", unsound.call, unsound.formation, unsound.concept, "--to", unsound.to.word, "--json"
        )
        assert status == 0 and json.loads(out)["sound"] is False

    def test_to_is_absolute_after_the_flip(self, run):
        for flip in ((), ("--flip",)):
            look = json.loads(run("derive", *LOOK, "--to", "left", *flip, "--json")[1])
            assert look["to"] == "left" and look["flip"] is bool(flip)
        own = [json.loads(run("derive", *LOOK, *flip, "--json")[1])["to"] for flip in ((), ("--flip",))]
        assert own == ["right", "left"]  # power goes to the tight end

    def test_motion_and_options(self, run):
        look = json.loads(
            run(
                "derive",
                LOOK[0],
                "11-doubles",
                "inside-zone",
                "--motion",
                "across",
                "--with",
                "read",
                "--with",
                "box",
                "--json",
            )[1]
        )
        assert look["motion"] == "across" and look["options"] == ["read", "box"] and look["eyes"] is not None

    @pytest.mark.parametrize(
        ("argv", "words"),
        [
            (("odd-three-safty", "11-doubles", "power"), ("unknown call", "odd-three-safety")),
            ((LOOK[0], "11-double", "power"), ("unknown formation", "11-doubles")),
            ((*LOOK[:2], "powr"), ("unknown concept", "power")),
            ((*LOOK, "--to", "up"), ("direction", "left or right", "'up'")),
            ((*LOOK, "--hash", "centre"), ("hash", "left, middle or right")),
            ((*LOOK, "--motion", "jett"), ("unknown motion", "jet")),
            ((*LOOK, "--with", "bax"), ("unknown option", "box")),
            ((*LOOK, "--first-step", "RG"), ("ROLE=STEP", "'RG'")),
            ((*LOOK, "--first-step", "RG=jump"), ("first step of RG", "pull", "'jump'")),
            ((*LOOK, "--first-step", "QQ=in"), ("first step", "'QQ'", "RG")),
            ((*LOOK, "--first-step", "RG=in", "--first-step", "RG=out"), ("one step", "in and out")),
            ((*LOOK, "--book", "pro"), ("rule book", "professional")),
            ((LOOK[0], "00-empty", "power"), ("cannot be run from Empty, five wide",)),
            (LOOK[:2], ("CONCEPT",)),
            ((*LOOK, "extra"), ("extra",)),
            ((*LOOK, "--jsn"), ("--jsn",)),
            ((*LOOK, "--file", "/no/such.toml"), ("/no/such.toml", "can be read")),
        ],
        ids=lambda v: "-".join(v)[-40:] if isinstance(v, tuple) else None,
    )
    def test_bad_input(self, run, argv, words):
        assert refused(run("derive", *argv), *words)

    @settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
    @given(
        st.lists(
            st.one_of(
                st.sampled_from([*LOOK, "left", "right", "--to", "--flip", "--hash", "--json", "--with", "--motion",
                                 "--first-step", "--file",
                                 "RG=in", "box", "jet", "--", "-", ".", "/dev/null", "--role", "", "=", "\udcff"]),
                st.text(max_size=6),
            ),
            max_size=9,
        )
    )  # fmt: skip
    def test_no_words_make_a_traceback_or_half_a_result(self, run, words):
        status, out, err = run("derive", *words)
        if status == 0:
            assert out and not err
        else:
            assert status == 2 and out == "" and err.count("\n") == 1


class TestOwnFiles:
    def test_a_system_of_ones_own_comes_first(self, run, tmp_path):
        own = tmp_path / "own.toml"
        own.write_text(SYSTEM.read_text().replace("odd-three-safety", "our-odd"), encoding="utf-8")
        status, out, _ = run("derive", "our-odd", *LOOK[1:], "--file", own, "--json")
        assert status == 0 and json.loads(out)["call"] == "our-odd"
        assert "our-odd" in run("list", "calls", "--file", own)[1]

    def test_a_formation_of_ones_own(self, run, tmp_path):
        entry = fits.load_library().formation("11-doubles").as_dict() | {"name": "ours", "note": "", "source": ""}
        own = tmp_path / "own.toml"
        own.write_text(fits.format_toml({"formation": [entry]}), encoding="utf-8")
        one = json.loads(run("derive", LOOK[0], "ours", LOOK[2], "--file", own, "--json")[1])
        two = json.loads(run("derive", *LOOK, "--json")[1])
        assert one | {"formation": ""} == two | {"formation": ""}

    def test_an_illegal_formation_names_the_rule(self, run, tmp_path):
        entry = fits.load_library().formation("11-doubles").as_dict() | {"name": "ours", "label": "Our doubles"}
        entry["players"] = [p | ({"y": 0.5} if p["role"] == "X" else {}) for p in entry["players"]]
        own = tmp_path / "own.toml"
        own.write_text(fits.format_toml({"formation": [entry]}), encoding="utf-8")
        assert refused(
            run("derive", LOOK[0], "ours", LOOK[2], "--file", own), "illegal formation 'Our doubles'", "neutral-zone"
        )
        assert refused(run("check", own), "neutral-zone")


class TestCheck:
    @pytest.mark.parametrize("path", sorted(LIBRARY.rglob("*.toml")), ids=lambda p: p.name)
    def test_the_shipped_files_pass(self, run, path):
        if path.name in ("techniques.toml", "courses.toml"):  # only ever read as part of the library
            return
        status, out, err = run("check", path)
        assert (status, err) == (0, "") and out

    @pytest.mark.parametrize(
        ("old", "new", "words"),
        [
            ('group = "line"', 'group = "lines"', ("role[0].group", "linebacker")),
            ('when = "tight end on my side"', 'when = "tight end on my sid"', ("when", "tight end on my side")),
            ('reads = "tackle, then guard"', 'reads = "takle, then guard"', ("reads", "tackle")),
            ('at = "4i"', 'at = "44i"', ("at", "4i")),
            ('fit = "spill"', 'fit = "spil"', ("fit", "spill")),
            ('leverage = "spill"', 'leverage = "hard"', ("leverage", "force")),
            ('who = "N"', 'who = "NN"', ("who", "'NN'")),
            ('side = "middle"', 'side = "centre"', ("side", "middle")),
            ('strength = "passing"', 'strength = "loud"', ("strength", "passing")),
            ('coverage = "three-safety"', 'coverage = "nine-safety"', ("coverage", "three-safety")),
            ('techniques = "standard"', 'techniques = "none"', ("techniques", "standard")),
            ("[[role]]", "[[rolle]]", ("rolle",)),
            ("[system]", "[system", ("syntax",)),
        ],
        ids=lambda v: str(v)[:24],
    )
    def test_a_damaged_system_names_file_line_and_key(self, run, tmp_path, old, new, words):
        text = SYSTEM.read_text(encoding="utf-8")
        assert old in text
        path = tmp_path / "damaged.toml"
        path.write_text(text.replace(old, new, 1), encoding="utf-8")
        assert refused(run("check", path), "damaged.toml", *words)
        assert refused(run("derive", *LOOK, "--file", path), "damaged.toml")

    def test_twelve_men_are_refused(self, run, tmp_path):
        path = tmp_path / "twelve.toml"
        path.write_text(
            SYSTEM.read_text() + '\n[[role]]\nname = "Q"\ngroup = "secondary"\nside = "middle"\n', encoding="utf-8"
        )
        assert refused(run("check", path), "eleven defenders", "12")

    def test_a_man_whose_rules_can_run_out_is_found(self, run, tmp_path):
        """The last rule always applies, but the place it names is not always there."""
        text = SYSTEM.read_text(encoding="utf-8")
        data = tomllib.loads(text)
        for coverage in data["coverage"]:
            for rule in coverage["fits"]:
                if rule["who"] == "MS":
                    rule["fit"] = "inside the crosser"
        path = tmp_path / "gone.toml"
        path.write_text(fits.format_toml(data), encoding="utf-8")
        assert refused(run("check", path), "no fit rule holds for MS", "last in each man's list")

    @pytest.mark.parametrize(
        "content",
        [
            b"",
            b"\xff\xfe\x00",
            b"[[formation]]",
            b"formation = 3",
            b"x = 1",
            b"x = " + b"[" * 9999,
            b"x = " + b"9" * 9999,
            b"system = 1",
            b"\x00" * 9,
        ],
    )
    def test_files_that_are_something_else(self, run, tmp_path, content):
        path = tmp_path / "other.toml"
        path.write_bytes(content)
        assert refused(run("check", path), "other.toml", "expected")

    def test_a_folder_is_not_a_file(self, run, tmp_path):
        assert refused(run("check", tmp_path), "can be read")

    @settings(max_examples=200, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
    @given(st.data())
    def test_any_value_changed_is_read_or_refused_with_its_key(self, data):
        """A hole torn anywhere in a system: the reader takes it or says what it expected, nothing else."""
        system = tomllib.loads(SYSTEM.read_text(encoding="utf-8"))
        junk = st.one_of(
            st.none(),
            st.integers(),
            st.floats(),
            st.booleans(),
            st.text(max_size=5),
            st.just([]),
            st.just({}),
            st.just([1]),
            st.just([{}]),
        )
        self.tear(data, system, junk)
        try:
            fits.build_system(system, "torn.toml", fits.load_library().schemes)
        except fits.FileError as error:
            assert str(error).startswith("torn.toml") and "expected" in str(error)

    def tear(self, data, value, junk):
        while True:
            keys = list(value) if isinstance(value, dict) else list(range(len(value)))
            key = data.draw(st.sampled_from(keys))
            inner = value[key]
            if isinstance(inner, dict | list) and inner and data.draw(st.integers(0, 3)):
                value = inner
                continue
            if data.draw(st.booleans()):
                value[key] = data.draw(junk)
            else:
                del value[key]
            return


class TestList:
    @pytest.mark.parametrize("kind", ["calls", "formations", "concepts", "options", "motions", "systems"])
    def test_names(self, run, kind):
        library = fits.load_library()
        status, out, _ = run("list", kind)
        assert status == 0
        assert [line.split()[0] for line in out.splitlines()] == list(getattr(library, kind))
        assert list(json.loads(run("list", kind, "--json")[1])) == list(getattr(library, kind))

    @pytest.mark.parametrize(
        "kind", ["conditions", "targets", "verbs", "landmarks", "keys", "blocking-conditions", "threat-places", "steps",
                 "codes", "techniques", "books"]
    )  # fmt: skip
    def test_words(self, run, kind):
        status, out, _ = run("list", kind)
        assert status == 0 and len(out.splitlines()) >= 2

    def test_everything(self, run):
        out = run("list")[1]
        assert "odd-three-safety" in out and "11-doubles" in out and "jet" in out

    def test_unknown(self, run):
        assert refused(run("list", "callz"), "unknown list", "calls")


class TestMatrix:
    def test_json_lines_are_looks_or_reasons(self, run):
        status, out, err = run(
            "matrix",
            "--calls",
            LOOK[0],
            "--formations",
            "11-d*,00-empty",
            "--concepts",
            "pow*",
            "--concepts",
            "qb-draw",
        )
        rows = [json.loads(line) for line in out.splitlines()]
        assert (status, err) == (0, "")
        assert len(rows) == 1 * 2 * 3 * 2 * 2  # power, power-read, qb-draw
        for row in rows:
            if row["sound"] is None:
                assert row["reason"]
            else:
                CHECK.validate(row)
        assert {row["sound"] is None for row in rows} == {True, False}
        assert {row["band"] for row in rows} <= {None, *(b.value for b in fits.Band)}
        assert all((row["band"] == "sound") == bool(row["sound"]) for row in rows)

    def test_csv(self, run):
        _, out, _ = run(
            "matrix",
            "--calls",
            LOOK[0],
            "--formations",
            "11-d*,00-empty",
            "--concepts",
            "power",
            "--csv",
            "--to",
            "right",
            "--flip",
            "no",
        )
        rows = list(csv.DictReader(io.StringIO(out)))
        assert [r["formation"] for r in rows] == ["00-empty", "11-doubles"]
        assert rows[0]["sound"] == "" and "cannot be run" in rows[0]["reason"]
        assert rows[1]["sound"] in ("yes", "no") and rows[1]["reason"] == ""

    def test_short_rows_say_what_the_looks_say(self, run):
        argv = ("matrix", "--calls", LOOK[0], "--formations", "2*", "--concepts", "iso")
        short = [json.loads(line) for line in run(*argv, "--short")[1].splitlines()]
        long = [json.loads(line) for line in run(*argv)[1].splitlines()]
        assert [s["sound"] for s in short] == [n["sound"] for n in long]
        assert [s["findings"] for s in short if s["sound"] is not None] == [
            [f["code"] for f in n["findings"]] for n in long if n["sound"] is not None
        ]

    @pytest.mark.parametrize(
        ("argv", "words"),
        [
            (("--calls", "zz*"), ("unknown call", "zz*")),
            (("--formations", "11-doubles,nope"), ("unknown formation", "nope")),
            (("--to", "up"), ("left, right, both or own",)),
            (("--flip", "maybe"), ("no, yes or both",)),
            (("--hash", "far"), ("left, middle or right",)),
            (("--jobs", "0"), ("number from 1",)),
            (("--jobs", "many"), ("number from 1", "'many'")),
        ],
    )
    def test_bad_input(self, run, argv, words):
        assert refused(run("matrix", *argv), *words)


class TestDrawAndRepair:
    def test_draw(self, run, tmp_path):
        status, out, _ = run("draw", *LOOK, "--role", "M")
        assert status == 0 and out.startswith("<") and "<title" in out
        target = tmp_path / "look.svg"
        assert run("draw", *LOOK, "--out", target)[0] == 0
        assert "<svg" in target.read_text(encoding="utf-8")

    def test_draw_bad_input(self, run, tmp_path):
        assert refused(run("draw", *LOOK, "--role", "Q"), "'Q'")
        assert refused(run("draw", *LOOK, "--up", "sideways"), "offense", "defense")
        assert refused(run("draw", *LOOK, "--out", tmp_path / "no" / "such.svg"), "such.svg")

    def test_repair_of_a_sound_look(self, run):
        status, out, _ = run("repair", "over-quarters", "10-doubles", "inside-zone")
        assert status == 0 and "nothing to repair" in out

    def test_repair_prices_over_what_there_is(self, run):
        status, out, err = run("repair", "over-quarters", "10-doubles", "inside-zone", "--price-concepts", "nothing")
        assert status == 2 and out == "" and err.count("\n") == 1 and "nothing" in err

    def test_repairs_are_proven(self, run):
        library = fits.load_library()
        found = 0
        for made in fits.derive_matrix(
            [library.call("okie-two-gap")], library.formations.values(),
            [library.concept("power"), library.concept("counter")],
            flips=(False,),
        ):  # fmt: skip
            if found == 2 or not isinstance(made, fits.Look) or made.sound:
                continue
            found += 1
            asked = ("repair", made.call, made.formation, made.concept, "--to", made.to.word)
            asked += ("--price-concepts", "power")
            status, out, _ = run(*asked, "--json")
            answer = json.loads(out)
            CHECK_REPAIR.validate(answer)
            assert status == 0 and answer["look"]["sound"] is False
            assert isinstance(answer["reach"]["possible"], bool)
            for repair in answer["repairs"]:
                CHECK.validate(repair["look"])
                assert repair["look"]["band"] != "not sound"
                price = repair["price"]
                assert (
                    price["looks"]
                    == price["better"] + price["worse"] + price["same"]
                    == sum(row["looks"] for row in price["bands"])
                )
            text = run(*asked)[1]
            assert text.startswith(answer["look"]["band"].capitalize() + ":")
            for repair in answer["repairs"]:
                assert all(rule["say"] in text for rule in repair["rules"])
            assert text.count("Price: ") == len(answer["repairs"])
            bare = json.loads(run(*asked, "--json", "--no-price")[1])
            assert bare["repairs"] == [repair | {"price": None} for repair in answer["repairs"]]
        assert found == 2


class TestProcess:
    def shell(self, command):
        return subprocess.run(
            ["bash", "-c", command], capture_output=True, text=True, timeout=120, check=False,
            cwd=Path(fits.__file__).parents[1],
        )  # fmt: skip

    def test_as_a_module(self):
        done = self.shell(f"{sys.executable} -m fits derive {' '.join(LOOK)} --json")
        assert done.returncode == 0 and jsonschema.Draft202012Validator({"type": "object"}).is_valid(
            json.loads(done.stdout)
        )

    def test_no_command(self):
        done = self.shell(f"{sys.executable} -m fits")
        assert done.returncode == 2 and done.stderr.count("\n") == 1 and done.stdout == ""

    @pytest.mark.parametrize("jobs", [1, 2])
    def test_a_reader_who_has_had_enough(self, jobs):
        done = self.shell(f"{sys.executable} -m fits matrix --jobs {jobs} | head -n 1; echo ${{PIPESTATUS[0]}}")
        first, status = done.stdout.splitlines()
        assert json.loads(first)["call"] and status == "0" and done.stderr == ""

    def test_a_full_disk(self):
        done = self.shell(f"{sys.executable} -m fits matrix --formations 11-doubles > /dev/full")
        assert done.returncode == 2 and done.stderr.count("\n") == 1 and "space" in done.stderr.lower()

    def test_the_progress_bar_is_for_terminals_only(self):
        ours, theirs = pty.openpty()
        command = [sys.executable, "-m", "fits", "matrix", "--formations", "11-doubles", "--concepts", "power", "--csv"]
        done = subprocess.run(
            command, stdout=subprocess.PIPE, stderr=theirs, timeout=120, check=True, cwd=Path(fits.__file__).parents[1]
        )
        os.close(theirs)
        shown = os.read(ours, 4096).decode()
        os.close(ours)
        looks = done.stdout.decode().count("\n") - 1
        assert f"{looks} of {looks} looks" in shown and "\r" not in done.stdout.decode()

    def test_help_names_every_command(self):
        done = self.shell(f"{sys.executable} -m fits --help")
        assert done.returncode == 0
        for command in ("derive", "matrix", "draw", "repair", "list", "check"):
            assert command in done.stdout


class TestSheets:
    def test_one_sheet_for_each_system_and_concept(self, run, tmp_path):
        status, out, _ = run(
            "sheets", "--system", "o*", "--concept", "power,trap", "--formation", "11-doubles,00-empty", "--out",
            str(tmp_path),
        )  # fmt: skip
        assert status == 0
        names = {
            f"{s}--{c}.svg" for s in ("odd-three-safety", "okie-two-gap", "over-quarters") for c in ("power", "trap")
        }
        assert {p.name for p in tmp_path.iterdir()} == names == {Path(line).name for line in out.split()}

    def test_a_sheet_says_who_blocks_whom_and_why_a_look_is_missing(self, run, tmp_path):
        run(
            "sheets",
            "--system",
            "okie*",
            "--concept",
            "power",
            "--formation",
            "11-doubles,00-empty",
            "--out",
            str(tmp_path),
        )
        svg = (tmp_path / "okie-two-gap--power.svg").read_text(encoding="utf-8")
        said = " ".join(ET.fromstring(svg).itertext())
        look = fits.load_library()
        made = fits.derive_look(look.call("okie-two-gap"), look.formation("11-doubles"), look.concept("power"))
        for block in made.blocks:
            if block.on is not None:
                assert words_of(made).man(block.on) in said
        assert "00-empty: " in said

    def test_parts(self, run, tmp_path):
        run("sheets", "--system", "over*", "--concept", "duo", "--per-sheet", "16", "--out", str(tmp_path))
        assert sorted(p.name for p in tmp_path.iterdir()) == ["over-quarters--duo-1.svg", "over-quarters--duo-2.svg"]

    def test_bad_numbers(self, run, tmp_path):
        refused(run("sheets", "--columns", "0", "--out", str(tmp_path)), "columns", "1 to 8")


class TestDrawKinds:
    def test_wide_dark_and_grey(self, run):
        base = run("draw", *LOOK)[1]
        drawn = [run("draw", *LOOK, *flags)[1] for flags in (["--wide"], ["--dark"], ["--grey"], ["--wide", "--dark"])]
        assert len({base, *drawn}) == 5
        assert 'viewBox="0 0 960' in drawn[0] and 'viewBox="0 0 360' in base

    def test_one_ground_at_a_time(self, run):
        refused(run("draw", *LOOK, "--dark", "--grey"), "not allowed with")
