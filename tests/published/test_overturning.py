"""Overturning of one panel, composed check problem C7: our own hand calculation, not published."""

from __future__ import annotations

import pytest

from engineering.tie_downs import overturning


def test_c7_net_tension():
    turned = overturning(
        shear_lb=350.0 * 6.0,
        height_ft=8.0,
        length_ft=6.0,
        arm_ft=5.5,
        dead_load_plf=120.0,
        dead_load_factor=0.6,
        compression_factor=1.0,
    )
    values = {step.key: step.value for step in turned.steps}
    assert values["overturning_ft_lb"] == pytest.approx(16800.0)
    assert values["dead_moment_ft_lb"] == pytest.approx(2160.0)
    assert turned.tension_lb == pytest.approx(2818.9, rel=0.003)
